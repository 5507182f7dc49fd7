"""What is drawn or printed from a build: charts now; sheets and templates later."""
