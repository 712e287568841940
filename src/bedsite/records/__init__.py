"""The ledger: chains of revisions, events, people, snapshots, jobs. No formulas."""
