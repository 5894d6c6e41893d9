"""Linear least squares with reliability, and deletion without solving again.

The model, in the unknowns x (d,):

    observed = design x + noise,      noise ~ N(0, covariance)
    x ~ N(prior mean, prior covariance)   for some unknowns; the others are free

With S = covariance + design C design' the covariance of what is observed under the prior, and F
the columns of the free unknowns, everything wanted follows from

    M = S⁻¹ - S⁻¹F (F'S⁻¹F)⁺ F'S⁻¹        (= P Qvv P of the geodetic books)
    q = M (observed - design · prior mean)  (= P v, the weighted residuals)
    G = ∂x̂ / ∂observed

Test statistic of an error along direction c: w = c'q / √(c'Mc); its size: c'q / c'Mc.
Redundancy numbers: diag(covariance · M). Least detectable error: δ₀ / √(c'Mc). Deleting the rows
B: a Schur complement of M. None of it needs the prior covariance to be regular, since it is never
inverted. Baarda (1968) for w and the least detectable error; the deletion is that of adding one
unknown error per deleted row.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import cho_factor, cho_solve

FloatArray: TypeAlias = NDArray[np.float64]

CONFLICT_W: Final = 3.290526731491926
"""Two-sided 0.1 % point of the normal distribution (Baarda 1968)."""

DETECTION_SHIFT: Final = CONFLICT_W + 0.8416212335729143
"""Shift of w found with 80 % power at that level: 4.1321."""

LEAST_REDUNDANCY: Final = 1e-11
"""An observation of less redundancy is checked by nothing: far below any real one (an expectation
100,000 times vaguer than the tape), far above what rounding leaves of a zero."""


@dataclass(frozen=True, slots=True)
class Prior:
    """Gaussian knowledge of the unknowns at ``places``; the rest is free."""

    places: NDArray[np.intp]
    mean: FloatArray
    covariance: FloatArray


@dataclass(frozen=True, slots=True)
class Adjustment:
    """A solved linear model of n observations and d unknowns.

    Attributes
    ----------
    values, variances
        Estimates (d,); NaN where nothing determines the unknown.
    information
        M above, (n, n); rows and columns of deleted observations are zero.
    weighted_residuals
        q above, (n,).
    gain
        G above, (d, n).
    covariance
        Of the observations, (n, n), as given.
    """

    values: FloatArray
    variances: FloatArray
    information: FloatArray
    weighted_residuals: FloatArray
    gain: FloatArray
    covariance: FloatArray

    @property
    def redundancy(self) -> FloatArray:
        """Redundancy numbers (n,), 0 unchecked to 1 fully checked; their sum is the surplus."""
        return np.asarray(np.einsum("ij,ji->i", self.covariance, self.information))

    @property
    def w(self) -> FloatArray:
        """Standardised residuals by deletion (n,); NaN where nothing checks the observation."""
        strength = self._strength(np.diag(self.information), np.diag(self.covariance))
        return _standardised(self.weighted_residuals, strength)

    @property
    def detectable(self) -> FloatArray:
        """Least detectable error (n,) at 0.1 % and 80 %; infinite where nothing checks."""
        strength = self._strength(np.diag(self.information), np.diag(self.covariance))
        shows = strength > 0
        return np.where(shows, DETECTION_SHIFT / np.sqrt(np.where(shows, strength, 1.0)), np.inf)

    def test(self, directions: FloatArray) -> FloatArray:
        """w of an error along each column of ``directions`` (n, k); NaN where it cannot show."""
        strength = (directions * (self.information @ directions)).sum(axis=0)
        scale = np.diag(self.covariance) @ directions**2
        return _standardised(
            directions.T @ self.weighted_residuals, self._strength(strength, scale)
        )

    def without(self, rows: Sequence[int]) -> Adjustment:
        """The same adjustment with these observations deleted, by a rank-k downdate."""
        if not rows:
            return self
        b = np.asarray(rows, dtype=np.intp)
        inverse, lost = _inverse_and_null(self.information[np.ix_(b, b)], self.covariance[b, b])
        columns = self.information[:, b]
        shift = inverse @ self.weighted_residuals[b]
        gain_b = self.gain[:, b]
        undetermined = (np.abs(gain_b @ lost) > 1e-6).any(axis=1)
        variances = self.variances + np.einsum("db,bc,dc->d", gain_b, inverse, gain_b)
        information = self.information - columns @ inverse @ columns.T
        information[b, :] = information[:, b] = 0.0
        residuals = self.weighted_residuals - columns @ shift
        residuals[b] = 0.0
        return replace(
            self,
            values=np.where(undetermined, np.nan, self.values - gain_b @ shift),
            variances=np.where(undetermined, np.nan, variances),
            information=information,
            weighted_residuals=residuals,
            gain=self.gain - gain_b @ inverse @ columns.T,
        )

    @staticmethod
    def _strength(strength: FloatArray, scale: FloatArray) -> FloatArray:
        return np.where(strength * scale > LEAST_REDUNDANCY, strength, 0.0)


def adjust(
    design: FloatArray, observed: FloatArray, covariance: FloatArray, prior: Prior | None = None
) -> Adjustment:
    """Solve the linear model of the head of this file.

    Parameters
    ----------
    design
        (n, d).
    observed
        (n,).
    covariance
        Of the observations, (n, n), positive definite.
    prior
        Knowledge of some unknowns; without it all are free.

    Raises
    ------
    numpy.linalg.LinAlgError
        If ``covariance`` is not positive definite.
    """
    count, unknowns = design.shape
    known = np.zeros(0, dtype=np.intp) if prior is None else prior.places
    free = np.setdiff1d(np.arange(unknowns), known)
    values, variances = np.zeros(unknowns), np.zeros(unknowns)
    gain = np.zeros((unknowns, count))
    total, misclosure = covariance, observed
    if prior is not None:
        reach = prior.covariance @ design[:, known].T  # (m, n)
        total = covariance + design[:, known] @ reach
        misclosure = observed - design[:, known] @ prior.mean
    inverse = cho_solve(cho_factor(total, lower=True), np.eye(count))
    loading = inverse @ design[:, free]
    free_covariance, lost = _inverse_and_null(design[:, free].T @ loading, None)
    information = inverse - loading @ free_covariance @ loading.T
    residuals = information @ misclosure
    gain[free] = free_covariance @ loading.T
    values[free] = gain[free] @ misclosure
    variances[free] = np.diag(free_covariance)
    if prior is not None:
        gain[known] = reach @ information
        values[known] = prior.mean + gain[known] @ misclosure
        variances[known] = np.diag(prior.covariance) - np.einsum("mn,mn->m", gain[known], reach)
    undetermined = free[(np.abs(lost) > 1e-6).any(axis=1)]
    values[undetermined] = variances[undetermined] = np.nan
    return Adjustment(values, variances, information, residuals, gain, covariance)


def _standardised(pull: FloatArray, strength: FloatArray) -> FloatArray:
    shows = strength > 0
    return np.where(shows, pull / np.sqrt(np.where(shows, strength, 1.0)), np.nan)


def _inverse_and_null(
    matrix: FloatArray, scale: FloatArray | None
) -> tuple[FloatArray, FloatArray]:
    """Pseudo-inverse (k, k) and null directions (k, j) of a positive semidefinite matrix.

    ``scale`` are variances that make the matrix dimensionless; None takes its own diagonal.
    """
    if matrix.shape[0] == 0:
        return matrix, np.zeros((0, 0))
    if scale is None:
        diagonal = np.diag(matrix)
        scale = 1.0 / np.where(diagonal > 0, diagonal, 1.0)
    root = np.sqrt(scale)
    powers, axes = np.linalg.eigh(matrix * np.outer(root, root))
    regular = powers > LEAST_REDUNDANCY
    kept = axes[:, regular] * root[:, None]
    lost = axes[:, ~regular] * root[:, None]
    lengths = np.linalg.norm(lost, axis=0)
    return (kept / powers[regular]) @ kept.T, lost / np.where(lengths > 0, lengths, 1.0)
