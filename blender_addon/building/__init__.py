"""Building a stamp: the scene is read, the core makes, the scene is brought up to what was made."""
