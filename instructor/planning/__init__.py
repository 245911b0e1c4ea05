"""From the time there is and the wishes of who teaches to a timetable that provably fits."""
