"""Free practice: problems without end, the next one chosen by what the learner knows and what is shaky."""
