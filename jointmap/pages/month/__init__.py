"""A month's task, plan, page and sheets."""
