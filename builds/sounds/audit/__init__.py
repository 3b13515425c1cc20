"""What a sound file is and how it sounds: pure, knows no table, no page and no clock."""
