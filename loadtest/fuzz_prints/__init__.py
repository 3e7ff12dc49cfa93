"""Printer bytes nobody would send, held against the reader: ``python -m loadtest.fuzz_prints``."""
