package org.bathwarden.face.web;

import java.net.InetAddress;
import java.net.UnknownHostException;
import java.util.ArrayList;
import java.util.List;

/**
 * Where the HTTP face listens.
 *
 * @param host address to bind to; loopback unless a site wants otherwise
 * @param port port; 0 for any free one
 * @param entries whether entries are taken; on loopback only
 */
public record WebSettings(String host, int port, boolean entries) {

  /** Loopback, with entries. */
  public static WebSettings loopback(int port) {
    return new WebSettings("127.0.0.1", port, true);
  }

  /** Everything that is wrong; empty if the settings can be used. */
  public List<String> validate() {
    List<String> problems = new ArrayList<>();
    if (port < 0 || port > 65535) {
      problems.add("port: found " + port + ", allowed 0 to 65535");
    }
    try {
      if (entries && !InetAddress.getByName(host).isLoopbackAddress()) {
        problems.add("host: found " + host + ", entries are taken on a loopback address only");
      }
    } catch (UnknownHostException e) {
      problems.add("host: found " + host + ", allowed an address of this machine");
    }
    return problems;
  }
}
