"""Grade a class: take hand-ins in, run answers apart, judge, write down, give back."""
