"""From reports to verdicts, comparisons, maps, summaries and cases: one module for each stage."""
