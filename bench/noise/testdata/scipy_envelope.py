# Check values for package noise: Hilbert envelope and its spectrum of a small
# signal, by SciPy and NumPy, and the spectral kurtosis of the envelope. Run with
# Debian's python3-scipy (/usr/bin/python3); it prints what outside_test.go holds.
import numpy as np
import scipy
from scipy import signal, fft

rate, n = 8000.0, 4000
i = np.arange(n)
t = i / rate
# Three tones in the band, one of them modulated, and one outside.
x = (1 + 0.5 * np.cos(2 * np.pi * 83.3 * t)) * np.cos(2 * np.pi * 1510.7 * t) \
    + 0.4 * np.sin(2 * np.pi * 1722.2 * t) + 0.1 * np.cos(0.37 * i * i / n) + 2 * np.cos(2 * np.pi * 410.0 * t)
lo, hi = 1000.0, 2000.0
X = fft.fft(x)
f = np.abs(fft.fftfreq(n, 1 / rate))
band = np.real(fft.ifft(np.where((f >= lo) & (f <= hi), X, 0)))
env = np.abs(signal.hilbert(band)) ** 2
w = np.hanning(n)
amp = np.abs(fft.rfft((env - env.mean()) * w)) * 2 / w.sum()
print("scipy", scipy.__version__)
for k in (0, 1, 777, 2000, 3333, 3999):
    print("env[%d] = %.12g" % (k, env[k]))
for k in (0, 41, 42, 64, 105, 106, 147, 900):
    print("amp[%d] = %.12g" % (k, amp[k]))
print("sk = %.12g" % (np.mean(env ** 2) / np.mean(env) ** 2 - 2))
