"""Trees against equations -> verdicts, slips, points."""
