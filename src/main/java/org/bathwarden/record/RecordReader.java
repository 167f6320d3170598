package org.bathwarden.record;

import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.Proof;
import org.bathwarden.tank.TankId;

/** Looks into a record without changing it, also while the service has it open. For one thread. */
public final class RecordReader implements AutoCloseable {

  private final Path file;
  private final Connection connection;
  private final Codec codec = new Codec();

  private RecordReader(Path file, Connection connection) {
    this.file = file;
    this.connection = connection;
  }

  /**
   * Opens the record at {@code file} for reading.
   *
   * @throws RecordException if there is none, if it is damaged or of a newer version
   */
  public static RecordReader open(Path file) throws RecordException {
    if (!Files.isRegularFile(file)) {
      throw new RecordException(
          "record " + file + ": there is none yet; it is made when the service first runs");
    }
    Damage.refuse(file);
    try {
      Connection connection = Sql.look(file);
      try {
        Schema.refuseOther(connection, file);
      } catch (SQLException | RecordException e) {
        connection.close();
        throw e;
      }
      return new RecordReader(file, connection);
    } catch (SQLException e) {
      throw new RecordException("record " + file + ": cannot be read (" + e.getMessage() + ")", e);
    }
  }

  /**
   * Every order of every tank.
   *
   * @throws RecordException if the record cannot be read
   */
  public List<OrderList.Row> orders() throws RecordException {
    OrderList orders = new OrderList();
    try (PreparedStatement select =
        connection.prepareStatement("SELECT body FROM event WHERE kind IN (?, ?) ORDER BY seq")) {
      select.setString(1, DosingEvent.OrderPrepared.class.getSimpleName());
      select.setString(2, DosingEvent.OrderClosed.class.getSimpleName());
      try (ResultSet row = select.executeQuery()) {
        while (row.next()) {
          orders.add(codec.read(Fact.Event.class, row.getString(1)));
        }
      }
    } catch (SQLException e) {
      throw new RecordException("record " + file + ": cannot be read (" + e.getMessage() + ")", e);
    }
    return orders.rows();
  }

  /**
   * The last proof of each item of {@code tank}.
   *
   * @throws RecordException if the record cannot be read
   */
  public Map<String, Proof> proofs(TankId tank) throws RecordException {
    Map<String, Proof> given = new LinkedHashMap<>();
    try (PreparedStatement select =
        connection.prepareStatement(
            "SELECT body FROM event WHERE tank = ? AND kind = ? ORDER BY seq")) {
      select.setString(1, tank.name());
      select.setString(2, DosingEvent.Proved.class.getSimpleName());
      try (ResultSet row = select.executeQuery()) {
        while (row.next()) {
          if (codec.read(Fact.Event.class, row.getString(1)) instanceof Fact.Dosed dosed
              && dosed.event() instanceof DosingEvent.Proved proved) {
            given.put(proved.item(), proved.proof());
          }
        }
      }
    } catch (SQLException e) {
      throw new RecordException("record " + file + ": cannot be read (" + e.getMessage() + ")", e);
    }
    return given;
  }

  @Override
  public void close() throws RecordException {
    try {
      connection.close();
    } catch (SQLException e) {
      throw new RecordException("record " + file + ": closing: " + e.getMessage(), e);
    }
  }
}
