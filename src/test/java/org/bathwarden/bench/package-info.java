/** Benches, run by hand: the closed loop against plainer policies, and what the estimator costs. */
package org.bathwarden.bench;
