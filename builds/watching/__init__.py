"""What whoever looks after the machine asks: is the shop well, and what does it do."""
