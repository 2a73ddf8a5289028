"""What an author can call from a page: one family a file, each with its arguments, its numbers and its working."""
