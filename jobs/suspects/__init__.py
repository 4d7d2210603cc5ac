"""What may cause a complaint: tables of trade knowledge, and how evidence moves their odds.

Pure Python, apart from Django: `tables` reads and checks the files of `jobs/knowledge`, `odds`
updates by Bayes' rule, `pairs` weighs two faults at once, `information` says which test tells most.
"""
