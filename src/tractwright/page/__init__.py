"""The page: a local web page on which a shop does the whole job without touching a file."""
