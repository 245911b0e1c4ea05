"""What graders and students read: pages and tables."""
