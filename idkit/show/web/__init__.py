"""The phone page: what `idkit serve` shows to phones at the bench."""
