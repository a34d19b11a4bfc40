"""Pictures of the finished stamp: materials, stage, arrangements, camera, animation and rendering."""
