package org.bathwarden.line.opcua;

import java.io.IOException;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ThreadLocalRandom;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.opcua.OpcUaSettings.Security;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UInteger;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UShort;
import org.eclipse.milo.opcua.stack.core.types.enumerated.NodeClass;
import org.eclipse.milo.opcua.stack.core.types.structured.ReferenceDescription;

/**
 * Lists what a server offers, with the login and security of the line that is to be mapped. Reads
 * only. Objects and variables are walked from the folder Objects on, within bounds; the server's
 * own object is left out, since nothing of a line lies there.
 */
public final class OpcUaBrowser implements AutoCloseable {

  /** OPC UA Part 6: the folder Objects. */
  private static final NodeId OBJECTS = new NodeId(0, 85);

  /** OPC UA Part 6: the object Server. */
  private static final NodeId SERVER = new NodeId(0, 2253);

  private static final int READ_AT_ONCE = 100;
  private static final int LONGEST_VALUE = 60;

  private final Optional<Pki> pki;
  private final OpcUaConnection connection;
  private final OpcUaSettings settings;

  private OpcUaBrowser(OpcUaSettings settings, Optional<Pki> pki) {
    this.settings = settings;
    this.pki = pki;
    OpcUaConnector connector = new OpcUaConnector(settings, pki);
    this.connection =
        new OpcUaConnection(
            settings,
            connector::connect,
            System::nanoTime,
            () -> ThreadLocalRandom.current().nextDouble());
  }

  /**
   * A browser for a server; it connects at the first use.
   *
   * @throws IOException if the PKI folder cannot be used
   */
  public static OpcUaBrowser open(OpcUaSettings settings) throws IOException {
    Optional<Pki> pki =
        settings.security() instanceof Security.Basic256Sha256 protection
            ? Optional.of(Pki.open(protection.pki()))
            : Optional.empty();
    return new OpcUaBrowser(settings, pki);
  }

  /**
   * One node of a server.
   *
   * @param namespaceUri its namespace
   * @param identifier as a configuration's {@code node} has it, for example {@code s=Line.Tank1.ph}
   * @param path browse names from below Objects on, with slashes
   * @param variable whether it has a value; else it is an object
   * @param type of its value as a configuration's {@code type} has it, or the library's name of one
   *     that no item can have; empty for an object, or without a value
   * @param value in words; for a bad status its name
   */
  public record Node(
      String namespaceUri,
      String identifier,
      String path,
      boolean variable,
      String type,
      String value) {}

  /**
   * What was found.
   *
   * @param nodes in the order of the tree
   * @param cut whether depth or count ended the walk before the tree did
   */
  public record Found(List<Node> nodes, boolean cut) {
    /** Copies the list. */
    public Found {
      nodes = List.copyOf(nodes);
    }
  }

  private record Step(NodeId id, String path, int depth, boolean variable) {}

  /**
   * Walks the tree.
   *
   * @param depth levels below Objects
   * @param most nodes at most
   * @param by when it ends at the latest
   * @throws IOException if the server does not answer, in words
   */
  public Found browse(int depth, int most, Deadline by) throws IOException {
    try {
      OpcUaSession session = connection.session(by);
      List<Step> steps = new ArrayList<>();
      boolean cut = walk(session, depth, most, by, steps);
      return new Found(read(session, steps, by), cut);
    } catch (OpcUaFault fault) {
      throw new IOException(fault.why(), fault);
    }
  }

  private boolean walk(OpcUaSession session, int depth, int most, Deadline by, List<Step> into)
      throws OpcUaFault {
    Set<NodeId> seen = new HashSet<>(Set.of(OBJECTS, SERVER));
    Deque<Step> next = new ArrayDeque<>();
    below(session, new Step(OBJECTS, "", 0, false), most, by, seen, next);
    boolean cut = false;
    while (!next.isEmpty()) {
      Step step = next.pop();
      if (into.size() == most) {
        return true;
      }
      into.add(step);
      if (step.depth() < depth) {
        below(session, step, most, by, seen, next);
      } else {
        cut |= !step.variable();
      }
    }
    return cut;
  }

  /** Puts what lies below a node before everything else that waits. */
  private void below(
      OpcUaSession session, Step parent, int most, Deadline by, Set<NodeId> seen, Deque<Step> next)
      throws OpcUaFault {
    List<Step> children = new ArrayList<>();
    for (ReferenceDescription one : session.below(parent.id(), most + 1, leftMs(by))) {
      Optional<NodeId> id = one.getNodeId().toNodeId(session.namespaceTable());
      if (id.isPresent() && seen.add(id.get())) {
        String name = String.valueOf(one.getBrowseName().getName());
        children.add(
            new Step(
                id.get(),
                parent.path().isEmpty() ? name : parent.path() + "/" + name,
                parent.depth() + 1,
                one.getNodeClass() == NodeClass.Variable));
      }
    }
    for (int i = children.size() - 1; i >= 0; i--) {
      next.push(children.get(i));
    }
  }

  private long leftMs(Deadline by) throws OpcUaFault {
    long left = (by.nanoTime() - System.nanoTime()) / 1_000_000;
    if (left < 1) {
      throw OpcUaFault.notSent("the server has more than could be walked in the time given");
    }
    return Math.min(left, settings.connectTimeout().toMillis());
  }

  private List<Node> read(OpcUaSession session, List<Step> steps, Deadline by) throws OpcUaFault {
    List<NodeId> variables = steps.stream().filter(Step::variable).map(Step::id).toList();
    List<DataValue> values = new ArrayList<>();
    for (int i = 0; i < variables.size(); i += READ_AT_ONCE) {
      List<NodeId> some = variables.subList(i, Math.min(i + READ_AT_ONCE, variables.size()));
      values.addAll(session.read(some, leftMs(by)));
    }
    List<Node> nodes = new ArrayList<>();
    int next = 0;
    for (Step step : steps) {
      Optional<DataValue> value =
          step.variable() ? Optional.of(values.get(next++)) : Optional.empty();
      nodes.add(node(session, step, value));
    }
    return nodes;
  }

  private static Node node(OpcUaSession session, Step step, Optional<DataValue> value) {
    String uri = session.namespaceTable().get(step.id().getNamespaceIndex());
    String text = step.id().toParseableString();
    Optional<Object> number = value.flatMap(v -> Optional.ofNullable(v.value().value()));
    boolean bad = value.isPresent() && value.get().statusCode().isBad();
    return new Node(
        uri == null ? "" : uri,
        text.substring(text.indexOf(';') + 1),
        step.path(),
        step.variable(),
        number.map(OpcUaBrowser::type).orElse(""),
        bad ? Statuses.name(value.get().statusCode()) : number.map(OpcUaBrowser::words).orElse(""));
  }

  /** The word that a configuration has for the type, where an item can have it. */
  private static String type(Object value) {
    if (value instanceof Float) {
      return "f32";
    } else if (value instanceof Double) {
      return "f64";
    } else if (value instanceof UShort) {
      return "u16";
    } else if (value instanceof UInteger) {
      return "u32";
    } else if (value instanceof Short) {
      return "s16";
    } else if (value instanceof Integer) {
      return "s32";
    } else if (value instanceof Boolean) {
      return "bool";
    }
    return value.getClass().getSimpleName().toLowerCase(Locale.ROOT);
  }

  private static String words(Object value) {
    String text = value.getClass().isArray() ? "" : value.toString().replaceAll("\\p{Cntrl}", "?");
    return text.length() > LONGEST_VALUE ? text.substring(0, LONGEST_VALUE) + "…" : text;
  }

  @Override
  public void close() {
    connection.close();
    pki.ifPresent(Pki::close);
  }
}
