"""When plans are made: at once for every event (`quick`), searched behind it (`task`)."""
