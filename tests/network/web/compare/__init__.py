"""Pages and files that set stations side by side."""
