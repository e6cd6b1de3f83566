"""Values of the general-purpose library fluids (Debian python3-fluids) for the tests, one a line:
name, arguments, value. Run by tests/published/reference_library.cpp."""

from fluids.fittings import contraction_round, diffuser_conical, entrance_rounded
from fluids.flow_meter import C_Reader_Harris_Gallagher, orifice_expansibility
from fluids.friction import Colebrook

for method in ["Rennels", "Crane", "Miller", "Idelchik", "Harris", "Swamee"]:
    for radius in [0, 0.01, 0.02, 0.04, 0.06, 0.08, 0.10, 0.11, 0.12, 0.13, 0.14, 0.15]:
        print("entrance", method, radius, repr(float(entrance_rounded(Di=1.0, rc=radius, method=method))))
for ratio in [0.1, 0.2, 0.4, 0.5, 0.6, 0.8]:
    small = ratio**0.5
    for radius in [0.0, 0.02, 0.06, 0.10]:
        value = contraction_round(Di1=1.0, Di2=small, rc=radius * small, method="Miller")
        print("contraction", ratio, radius, repr(float(value)))
for reynolds, rough in [(4e3, 0), (1e4, 1e-2), (1e5, 0), (1e5, 1e-4), (1e5, 1e-2), (1e6, 1e-3)]:
    print("friction", reynolds, rough, repr(float(Colebrook(reynolds, rough))))
for beta in [0.2, 0.4, 0.5, 0.6, 0.75]:
    for reynolds in [1e4, 1e5, 1e6]:
        pipe, rho, mu = 1.0, 1.2, 1.8e-5
        flow = reynolds * mu * 0.7853981633974483 * pipe
        value = C_Reader_Harris_Gallagher(D=pipe, Do=beta * pipe, rho=rho, mu=mu, m=flow, taps="corner")
        print("plate", beta, reynolds, repr(float(value)))
    for ratio in [0.99, 0.9, 0.8]:
        value = orifice_expansibility(D=1.0, Do=beta, P1=1e5, P2=ratio * 1e5, k=1.4)
        print("expansibility", beta, ratio, repr(float(value)))
for angle in [7, 10, 15, 30, 60, 90]:
    value = diffuser_conical(Di1=0.05, Di2=0.08, angle=angle, fd=0.016, Re=1e5, method="Idelchik")
    print("diffuser", angle, 2.56, repr(float(value)))
