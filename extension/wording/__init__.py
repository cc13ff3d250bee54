"""Every sentence the tool says, in her unit."""
