"""What a case is: anatomy, films, instruments, difficulty, rubric and the document that holds them together."""
