"""Where several pipes meet without a volume between them."""
