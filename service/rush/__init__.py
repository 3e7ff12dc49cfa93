"""Carrying nights out on this machine's cores or on a cluster, and writing down what came out."""
