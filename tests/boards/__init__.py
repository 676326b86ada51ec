"""The programs for boards, run against a real hub."""
