"""The year: fifty-two weeks across, with the light, the frost, the hours and every lot's windows and acts."""
