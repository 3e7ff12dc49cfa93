"""The planner of Three Deep: pure, without web, database or clock."""
