"""What people and devices meet, asked through the front door."""
