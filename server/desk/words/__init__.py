"""How the desk says what a job, a ring set or a vehicle type holds. It decides nothing and asks no store."""
