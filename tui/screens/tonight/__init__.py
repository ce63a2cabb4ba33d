"""What a frosty night, a heat day, a gale or a power cut threatens."""
