"""What stands round a stamp in its picture: light, table, camera, and what is kept of them."""
