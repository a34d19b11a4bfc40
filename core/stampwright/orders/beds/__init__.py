"""All parts of an order on printers' beds: true outlines, close together, none over another, rush ones first."""
