"""What is wrong with a toolpath: in its layers, in the face, and against the job."""
