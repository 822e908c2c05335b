"""What fitted where: the records, what a job leaves to note, questions about them, sharing them with another shop."""
