"""What is said about findings: titles, sentences, remarks and advice."""
