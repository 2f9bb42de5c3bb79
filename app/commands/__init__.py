"""What menus, keys and buttons do: one function a command, each taking the desk it works on."""
