"""The service around the planner: tickets in, a build order out, pages and command line."""
