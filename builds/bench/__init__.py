"""The pages of the bench: Today, Bench, Intake, build sheet, dispatch day."""
