"""The record: `append` alone writes, `kinds` says what each entry means, `verify` checks."""
