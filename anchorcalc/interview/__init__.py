"""`start`: questions and what their answers mean, apart from the terminal."""
