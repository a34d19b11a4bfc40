"""How a job is written: files, tables, texts, numbers, and the names of earlier formats."""
