"""What keepers are told."""
