"""Orders: a table of stamps, each made once, laid on beds, given to printers, and told of to shop and customers."""
