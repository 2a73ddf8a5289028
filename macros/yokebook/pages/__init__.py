"""Pages: front matter, the calls in an author's Markdown, and placing what the calls give."""
