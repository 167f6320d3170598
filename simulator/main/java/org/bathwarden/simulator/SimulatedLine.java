package org.bathwarden.simulator;

import java.net.InetAddress;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.IntStream;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.Field;
import org.bathwarden.simulator.field.FieldSignals;
import org.bathwarden.simulator.plc.Panel;
import org.bathwarden.simulator.plc.Plc;
import org.bathwarden.simulator.plc.PlcConfig;
import org.bathwarden.simulator.plc.PlcImage;
import org.bathwarden.simulator.plc.PlcMemory;
import org.bathwarden.simulator.plc.PlcTank;
import org.bathwarden.simulator.plc.ToPlc;
import org.bathwarden.simulator.plc.WrittenItems;
import org.bathwarden.simulator.wire.LineMemory;
import org.bathwarden.simulator.wire.ModbusServer;
import org.bathwarden.simulator.wire.OpcUaSecurity;
import org.bathwarden.simulator.wire.OpcUaServerWire;
import org.bathwarden.simulator.wire.Protocol;
import org.bathwarden.simulator.wire.WireCounter;

/**
 * A whole line without the shop: the floor, the PLC and the servers over its memory. Simulated time
 * moves only by {@link #advance} (lockstep) or between {@link #runScaled} and {@link #stop}. In
 * each 100 ms the floor runs, the PLC scans what the wires wrote up to then, and one consistent
 * image is published to all wires.
 */
public final class SimulatedLine implements AutoCloseable {

  private static final Duration SCAN = Duration.ofMillis(PlcTank.SCAN_MS);

  private final Field field;
  private final Plc plc;
  private final LineFaults faults;
  private final WireCounter counter = new WireCounter();
  private final Memory memory = new Memory();
  private final ScaledRun run = new ScaledRun(this::advance);
  private final Optional<ModbusServer> modbus;
  private final Optional<ModbusServer> rtu;
  private final Optional<OpcUaServerWire> opcUa;
  private List<Actuators> outputs;
  private Duration notYetRun = Duration.ZERO;

  /**
   * Which wires to serve.
   *
   * @param modbusPort port for Modbus TCP, 0 for any free one; empty for none
   * @param rtuPort port for the frames of Modbus RTU over TCP, 0 for any free one; empty for none
   * @param opcUaPort port for OPC UA, 0 for any free one; empty for none
   * @param bind address to listen on
   * @param security the secured OPC UA endpoint, if there is to be one
   */
  public record Options(
      Optional<Integer> modbusPort,
      Optional<Integer> rtuPort,
      Optional<Integer> opcUaPort,
      InetAddress bind,
      Optional<OpcUaSecurity> security) {

    /** Modbus TCP and OPC UA on free ports of the loopback address, OPC UA without security. */
    public static Options onLoopback() {
      return new Options(
          Optional.of(0),
          Optional.empty(),
          Optional.of(0),
          InetAddress.getLoopbackAddress(),
          Optional.empty());
    }

    /** Only the frames of Modbus RTU over TCP, on a free port of the loopback address. */
    public static Options rtuOnLoopback() {
      return new Options(
          Optional.empty(),
          Optional.of(0),
          Optional.empty(),
          InetAddress.getLoopbackAddress(),
          Optional.empty());
    }
  }

  private SimulatedLine(Field field, List<PlcConfig> configs, Options options) {
    this.field = field;
    this.plc = new Plc(configs);
    this.faults = new LineFaults(this, plc);
    this.outputs = configs.stream().map(config -> Actuators.OFF).toList();
    step();
    this.modbus = options.modbusPort().map(port -> serve(Protocol.MODBUS, options.bind(), port));
    this.rtu = options.rtuPort().map(port -> serve(Protocol.MODBUS_RTU, options.bind(), port));
    this.opcUa =
        options
            .opcUaPort()
            .map(
                port ->
                    new OpcUaServerWire(
                        memory,
                        counter,
                        faults.wire(Protocol.OPC_UA),
                        options.bind(),
                        port,
                        options.security()));
  }

  /**
   * Powers the line up: one scan runs, then the wires are served.
   *
   * @param field the floor
   * @param configs one element for each tank of the floor, in its order
   * @param options which wires to serve
   */
  public static SimulatedLine open(Field field, List<PlcConfig> configs, Options options) {
    if (field.tanks() != configs.size()) {
      throw new IllegalArgumentException(
          field.tanks() + " tanks on the floor, " + configs.size() + " in the PLC");
    }
    return new SimulatedLine(field, configs, options);
  }

  /**
   * Runs simulated time on, in steps of 100 ms; a rest shorter than a step is kept for the next
   * call.
   */
  public synchronized void advance(Duration simulated) {
    notYetRun = notYetRun.plus(simulated);
    while (notYetRun.compareTo(SCAN) >= 0) {
      step();
      notYetRun = notYetRun.minus(SCAN);
    }
  }

  /** Lets simulated time run by itself, {@code speed} times as fast as real time. */
  public void runScaled(double speed) {
    run.start(speed);
  }

  /** Ends what {@link #runScaled} began; returns when the last step is done. */
  public void stop() {
    run.stop();
  }

  /** Simulated time that {@link #runScaled} could not keep up with and left out. */
  public Duration skipped() {
    return run.skipped();
  }

  /** Port of the Modbus TCP server. */
  public int modbusPort() {
    return modbus.orElseThrow(() -> new IllegalStateException("Modbus is not served")).port();
  }

  /** Port of the server for the frames of Modbus RTU over TCP. */
  public int rtuPort() {
    return rtu.orElseThrow(() -> new IllegalStateException("Modbus RTU is not served")).port();
  }

  /** Where OPC UA clients connect. */
  public String opcUaUrl() {
    return opcUaServer().url();
  }

  /**
   * Restarts the OPC UA server; the line's namespace comes after {@code namespacesBefore} others.
   */
  public void restartOpcUa(int namespacesBefore) {
    opcUaServer().restart(namespacesBefore);
  }

  /** What crossed the wires. */
  public WireCounter wire() {
    return counter;
  }

  /** What can be made to go wrong. */
  public LineFaults faults() {
    return faults;
  }

  /** The panel beside tank {@code tank}, counted from 0. */
  public Panel panel(int tank) {
    return plc.panel(tank);
  }

  /** What the last scan left of tank {@code tank}, counted from 0. */
  public synchronized PlcMemory snapshot(int tank) {
    return plc.memory(tank);
  }

  @Override
  public void close() {
    stop();
    modbus.ifPresent(ModbusServer::close);
    rtu.ifPresent(ModbusServer::close);
    opcUa.ifPresent(OpcUaServerWire::close);
  }

  private ModbusServer serve(Protocol protocol, InetAddress bind, int port) {
    return new ModbusServer(protocol, memory, counter, faults.wire(protocol), bind, port);
  }

  private OpcUaServerWire opcUaServer() {
    return opcUa.orElseThrow(() -> new IllegalStateException("OPC UA is not served"));
  }

  private void step() {
    field.step(PlcTank.SCAN_MS / 1000.0, outputs);
    List<FieldSignals> signals = new ArrayList<>(plc.tanks());
    for (int tank = 0; tank < plc.tanks(); tank++) {
      signals.add(field.signals(tank));
    }
    outputs = plc.scan(signals);
    memory.publish();
  }

  /** The border to the wires: images change as a whole, after a scan. */
  private final class Memory implements LineMemory {

    private volatile List<PlcImage> images = List.of();

    void publish() {
      images = IntStream.range(0, plc.tanks()).mapToObj(tank -> plc.memory(tank).image()).toList();
    }

    @Override
    public List<PlcImage> images() {
      return images;
    }

    @Override
    public WrittenItems written(int tank) {
      return plc.wire(tank).items();
    }

    @Override
    public void write(int tank, Map<ToPlc, Long> changes) {
      plc.wire(tank).apply(changes);
    }
  }
}
