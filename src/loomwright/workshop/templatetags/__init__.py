"""What templates may call."""
