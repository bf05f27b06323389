"""What several tests build on."""
