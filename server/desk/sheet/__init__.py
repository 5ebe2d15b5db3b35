"""One job sheet as the desk reads, shows and corrects it."""
