"""How sure a finding may be, from what it rests on; and how a visit ends on which the fault stayed
away. The rules stand apart from Django in `rules` and `untried`."""
