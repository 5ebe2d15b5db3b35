"""Tapermark's calculations: pure functions of plain values, on the standard library and numpy alone.

Frames and signs, stated once for the whole package:

- The local frame of a wheel is (forward, outboard, up). It is right-handed on the left wheel and its mirror image on
  the right wheel. Every formula here keeps its form in both, so nothing is computed twice.
- Clock angles run from the top towards the REAR of the vehicle: 0 top, 90 rear, 180 bottom, 270 front.
- Camber is positive with the top outboard, toe is positive with the front inboard (ISO 8855 front-view camber).
- Inside: radians, millimetres, float64. At every edge: whole millidegrees (mdeg), converted through `units`.

It reads no file, opens no connection and knows nothing of server or phone.
"""
