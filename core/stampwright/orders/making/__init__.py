"""Stamps made once each: by local processes or a cluster, stopped at their limits, and gone on with after any end."""
