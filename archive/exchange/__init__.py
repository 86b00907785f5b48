"""Stage: what one audience may see, in forms that other programs and later readers open."""
