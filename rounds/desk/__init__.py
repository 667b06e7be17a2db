"""Where clock, disk and the pure middle meet: one open colony at one desk."""
