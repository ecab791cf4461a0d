"""What people decided that changes which rules and tests hold."""
