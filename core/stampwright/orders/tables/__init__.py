"""Tables of orders: read as they come, checked row by row before anything is built, and written so that none runs."""
