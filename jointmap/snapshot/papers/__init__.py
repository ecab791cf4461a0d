"""Papers of persons and instruments: which hold on a day, what lets tests count."""
