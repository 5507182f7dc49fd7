"""What is drawn or printed from a build: charts, drawings, templates and sheets for the bench, the report."""
