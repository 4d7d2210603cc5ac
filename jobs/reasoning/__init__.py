"""The reasoning about a ticket's complaints: what `jobs.suspects` computes, fed from the record.

`of_ticket` gathers evidence and works out suspects, pairs and the next tests; `stop` says when
enough is known; `odds_words` puts numbers in words; `page` makes plain data for templates; `kept`
writes what was worked out into the record.
"""
