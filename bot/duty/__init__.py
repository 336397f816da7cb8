"""What happens without being asked: sweeps, delivery, rebuilding."""
