"""What people and devices meet: pages, the way in for reports, and the API."""
