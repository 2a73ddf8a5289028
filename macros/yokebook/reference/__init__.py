"""One department as a whole, without the host: its data, its pages, what each call gives, and every problem."""
