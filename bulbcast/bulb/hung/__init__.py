"""What hangs on the fin: what is asked, size and place solved, the ledger of masses, the balance."""
