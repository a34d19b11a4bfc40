"""What lies in the middle: the middle axis, and line art redrawn by it."""
