package org.bathwarden.simulator.wire;

import java.nio.file.Path;

/**
 * Lets the OPC UA server offer Basic256Sha256 with sign and encrypt beside the plain endpoint.
 *
 * @param username the only user
 * @param password that user's password
 * @param pki folder for the server's own key store and its trust list; a client's certificate must
 *     lie in {@code trusted/certs}, an unknown one is found in {@code rejected/certs}
 */
public record OpcUaSecurity(String username, String password, Path pki) {

  @Override
  public String toString() {
    return "OpcUaSecurity[username=" + username + ", pki=" + pki + "]";
  }
}
