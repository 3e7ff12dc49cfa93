"""What is measured rather than tested: plan quality, latency, driven rushes, and their inputs."""
