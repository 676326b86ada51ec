"""Values with their source, for tests to read.

Notes beside them mean: *read* - the text was opened; *read second-hand* - a page, program or test that quotes
the original was opened; *from memory* - held against nothing; *computed* - worked out with the stated formula,
independently of this project's code; *constructed* - made up so that a hand can check it.
"""
