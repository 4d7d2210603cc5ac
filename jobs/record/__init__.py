"""The record: `append` is its only writer, `kinds` says what each entry means, `verify` checks it."""
