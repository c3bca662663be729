"""Evidence to verdict: chances, likely set, sure or not, the next check, and learning."""
