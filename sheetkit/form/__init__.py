"""What is asked: columns, labels and examples, each declared once."""
