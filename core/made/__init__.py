"""Parts that are made: held against the parts now wanted, and what becomes of them."""
