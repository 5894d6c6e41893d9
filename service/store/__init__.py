"""What is kept: jobs, walls, photos, the history of every change, and the tasks still to do."""
