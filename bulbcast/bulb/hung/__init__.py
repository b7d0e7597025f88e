"""What hangs on the fin: what the plan asks for, size and place, the ledger of masses, the balance."""
