"""What the shop needs of an order: contact sheet, customers' pages, summary, picking list, prices."""
