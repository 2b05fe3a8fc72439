"""What the user wrote: the model, and the reader that says what is wrong with it and where."""
