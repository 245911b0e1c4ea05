"""From a folder or an archive of strangers' files to hand-ins."""
